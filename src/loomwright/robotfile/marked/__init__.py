"""YAML as a marked tree: raw text that knows where it stands, and the slips that people make in it."""
