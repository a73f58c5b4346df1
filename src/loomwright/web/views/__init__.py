"""What each screen shows, as plain data for its template: one file a screen."""
