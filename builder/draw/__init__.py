"""Records and numbers to pictures and figures as people read them."""
