"""Room one: text to records. Strict YAML with positions, notation, record types, checks that give findings."""
