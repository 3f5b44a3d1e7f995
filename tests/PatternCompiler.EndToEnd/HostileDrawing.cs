namespace PatternCompiler.EndToEnd;

/// <summary>A drawing that is damaged, or made to do harm.</summary>
/// <param name="File">Its name.</param>
/// <param name="Message">How the error begins.</param>
/// <param name="Bytes">Makes its bytes.</param>
/// <param name="Command">The command that refuses it. Arrays stay arrays until they are cut into figures: reading them is no fault.</param>
internal sealed record HostileDrawing(string File, string Message, Func<byte[]> Bytes, string Command = "parse");
