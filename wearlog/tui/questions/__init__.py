"""What the screens ask of the log. Each function runs in a thread of the gateway, gets its door and returns a frozen answer.

Whatever needs the database or numpy is imported inside the functions: the first paint comes before any of it is loaded.
"""
