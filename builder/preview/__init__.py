"""Serve and rebuild while somebody writes."""
