"""Mending as a service: asked for, worked out beside the server, and ready before it is asked."""
