"""Independent checks of what the engine answers; no code is shared with it."""
