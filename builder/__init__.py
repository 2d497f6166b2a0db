"""Droplight: a folder of diagnostic playbooks in, a static site out.

Data flows one way, ``read → reckon → draw → publish``; no import runs back.
"""

__version__ = "0.1.0"
