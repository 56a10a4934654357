"""Numbers others published, and what our code makes of the same inputs."""
