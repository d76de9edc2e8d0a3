"""What to do on the tissue: what moved as a whole, and what is an offset from the printed line."""
