"""The domain says no: a code for programs and a sentence for people."""


class Refusal(Exception):
    """An act the rules do not allow; nothing was changed.

    ``code`` is stable and for programs; the sentence says what, which item and what to do.
    """

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
