"""The plan as data: decisions with their reasons; nothing here decides."""
