"""What hands can do in the room: things to touch, gestures, the keyboard's focus, the foot, and what is said and heard."""
