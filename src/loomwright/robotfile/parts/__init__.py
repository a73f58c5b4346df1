"""Part files, and the library that finds them."""
