"""Lines, arcs and chains; regions and Minkowski sums; the constants of the geometry."""
