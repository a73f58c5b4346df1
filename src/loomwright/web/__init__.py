"""The bench on screens: pages and an HTTP API over one robot's bench, for this laptop and for phones that joined."""
