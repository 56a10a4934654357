"""Files at the edge: images, marks, user tables and meshes, each refused in one clear sentence."""
