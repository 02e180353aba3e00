"""A season of simulated racks, kept by the program, by rules of thumb, and by one who sees everything."""
