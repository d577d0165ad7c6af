"""Takes requests in: an event loop waits for them, and threads run the app on those that are whole.

gunicorn keeps its part: the processes, the sockets, the grammar of heads and answers. What it leaves to the
threads, waiting for heads and bodies, is done here, with a deadline and a place for each.
"""
