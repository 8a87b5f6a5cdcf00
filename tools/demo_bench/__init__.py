"""Makes the bench files of the demo study: run ``python tools/make_demo.py``."""
