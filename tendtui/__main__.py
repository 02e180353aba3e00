"""`python -m tendtui` is the same as `tendtui`."""

from tendtui.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
