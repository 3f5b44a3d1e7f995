namespace PatternCompiler.VirtualLab.Streams;

/// <summary>A stream that no receiver would write, by the rules of the stream's page.</summary>
public sealed class StreamFaultException(string message) : Exception(message);
