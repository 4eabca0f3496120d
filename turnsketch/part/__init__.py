"""From the print to an exact outline: dimension text, limits, sketch, solver, corners."""
