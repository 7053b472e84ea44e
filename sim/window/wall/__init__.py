"""The viewing wall: prints in neutral light, the densitometer, differences, curves, soft beside hard."""
