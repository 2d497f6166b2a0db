"""The commands, one a file, and what they share. They read options, call the rooms and print; no work is done here."""
