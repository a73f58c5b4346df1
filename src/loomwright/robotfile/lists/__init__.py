"""What teams type into spreadsheets: lists of circuits, pull records."""
