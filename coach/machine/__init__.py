"""What Steading needs to know of the machine it runs on and of its network: addresses, names, keys, checks.

It knows no household and no database; whoever starts the service gives it folders, times and ports.
"""
