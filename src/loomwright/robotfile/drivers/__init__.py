"""How somebody drives, as files."""
