namespace PatternCompiler.Passes.Flatten;

/// <summary>A height of the resist that is wanted of an area.</summary>
/// <param name="Remaining">Part of the film that is to remain, 0 to 1.</param>
/// <param name="Prints">True if the area is to print like any other: a positive resist is to be gone, half of a negative one or more to stay.</param>
internal readonly record struct WantedHeight(double Remaining, bool Prints);
