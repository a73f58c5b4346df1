"""The rack: batteries and chargers as recorded, what is known of them, which is next, who charges, the day."""
