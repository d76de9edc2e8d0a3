"""Pieces cut: sections moved rigidly, joints made fair, darts and pleats, pieces split and joined."""
