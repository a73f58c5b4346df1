"""How the gauge is found; other rooms use the front door of `sizing`."""
