"""What a learner's own tap may prove: it decides no must while somebody watches who could have seen it."""

from tidalbay.judge.record import Record
from tidalbay.judge.verdict import CANNOT, Finding
from tidalbay.judge.words import told, upper


def undecided_by_own_word(record: Record, finding: Finding) -> Finding:
    """The finding on a must, or an undecided one where it rests on what only the learner says was done.

    What the equipment did is a fact whoever tapped it.  What only eyes can see is the learner's word: whoever
    watches settles it with a step's state.  Where nobody watches it stands, and the sentence says whose tap
    it was.
    """
    if finding.verdict == CANNOT or not record.is_watched:
        return finding
    by_number = {done.n: done for done in record.acts}
    own = [by_number[n] for n in finding.evidence.acts if n in by_number and by_number[n].is_own_word]
    if not own:
        return finding
    why = f"{upper(told(own[0]))}. Nobody who watched has said so, and a must does not rest on that alone."
    return finding.turned(CANNOT, why)
