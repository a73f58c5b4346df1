"""What things are made of: published tables with their sources, and parts as data."""
