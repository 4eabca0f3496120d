"""What readout and handwheels show: readings, wheel turns, tapers, step tables, corrections."""
