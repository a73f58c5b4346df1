"""plan.yaml, the tool's memory, and writing files whole or not at all."""
