"""Speed, feed, force, time and roughness of a cut."""
