"""Text to records: strict YAML with positions, notation, record types, checks that give findings."""
