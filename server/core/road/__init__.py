"""The road: licences, driver's hours and dangerous goods of a loaded vehicle."""
