"""``python -m service`` is the command ``lapful``."""

from service.command import main

if __name__ == "__main__":
    main()
