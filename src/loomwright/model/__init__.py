"""The nouns: what a robot file says and what parts are. Frozen, no input or output."""
