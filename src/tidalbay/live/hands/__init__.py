"""What hands, eyes and judges say to a station, and who may say what.

Plain JSON comes in; acts, marks and words to the clock go out as typed values, or a refusal in a sentence.
Nothing here knows an attempt.
"""
