"""The plan as an electrical network: what a meter would see of it, whole or with a fault."""
