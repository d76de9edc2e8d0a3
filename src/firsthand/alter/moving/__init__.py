"""Edges moved: profiles and the lines they give, corners, maps of positions, whole shapes bent."""
