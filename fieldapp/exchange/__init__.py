"""How the record travels: plain logs typed from paper, bundles, table exports, and their checks.

Files come from outside and are judged whole before anything is made of them.
"""
