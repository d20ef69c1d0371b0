"""Who is let in: this machine always, devices of the home network only once they are paired."""
