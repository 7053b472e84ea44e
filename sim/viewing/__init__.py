"""Looking and measuring: densitometer, easel meter, loupe, viewing light, tone reproduction diagram."""
