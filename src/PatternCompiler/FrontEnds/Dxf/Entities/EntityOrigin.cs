using System.Globalization;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>Where an entity came from, kept with it for messages.</summary>
/// <param name="Type">Entity type as the file names it.</param>
/// <param name="Layer">Layer name.</param>
/// <param name="Handle">Handle, 0 for none.</param>
/// <param name="Line">Line on which the entity starts; 0 in a binary file.</param>
internal readonly record struct EntityOrigin(string Type, string Layer, ulong Handle, int Line)
{
    /// <summary>The place for a message about this entity.</summary>
    public SourcePlace Place(string file) => new(file, Line, 0, ToString());

    /// <summary>For example "CIRCLE 2F on layer pads".</summary>
    public override string ToString() => Handle == 0
        ? $"{Type} on layer {Layer}"
        : $"{Type} {Handle.ToString("X", CultureInfo.InvariantCulture)} on layer {Layer}";
}
