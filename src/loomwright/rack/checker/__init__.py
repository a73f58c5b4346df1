"""Count a day of the rack again, without any code of the search or the simulator."""
