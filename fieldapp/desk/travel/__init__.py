"""How a project travels: bundles made for another device, and taken over from one."""
