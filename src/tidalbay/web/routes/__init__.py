"""A file for each thing that a browser asks about: pages, signing in, the board, a station and its socket.

Requests come in that the guard has passed. Each handler looks up who asks, calls one thing of the lab and
answers with a page, a receipt or a sentence.
"""
