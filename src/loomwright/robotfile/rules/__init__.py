"""Rule books as files."""
