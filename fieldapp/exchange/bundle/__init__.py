"""Bundles: one file that carries a project, or some shafts of it, from device to device by any means."""
