"""The ready forms, one TOML fragment each; `read/form.py` reads them."""
