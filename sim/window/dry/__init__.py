"""The dry side: enlarger, easel, timer, paper box and the rack of cards, drawn and worked."""
