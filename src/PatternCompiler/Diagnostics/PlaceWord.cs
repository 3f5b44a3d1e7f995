using System.Globalization;

namespace PatternCompiler.Diagnostics;

/// <summary>What the places of many shapes share: the file, what kind of thing was drawn, its cell and its layer, in the drawing's own terms.</summary>
/// <param name="File">Name of the drawing as the user gave it; null if it has none.</param>
/// <param name="Kind">What was drawn, as the format calls it: "LWPOLYLINE", "rect", "BOUNDARY".</param>
/// <param name="Cell">The cell that it stands in, or null.</param>
/// <param name="Layer">Its layer by the drawing's name, or null.</param>
/// <param name="Number">What the number of such a place is.</param>
internal readonly record struct PlaceWord(string? File, string Kind, string? Cell, string? Layer, PlaceNumber Number)
{
    /// <summary>For example "LWPOLYLINE 2F on layer ELECTRODES" or "BOUNDARY in cell PAD on layer 1/0, element 3".</summary>
    /// <param name="number">The number of the place.</param>
    /// <param name="name">Its name, where that is what the number is.</param>
    public string Entity(ulong number, string? name)
    {
        string text = Number switch
        {
            PlaceNumber.Handle when number != 0 => $"{Kind} {number.ToString("X", CultureInfo.InvariantCulture)}",
            PlaceNumber.Name when name is not null => $"{Kind} \"{name}\"",
            _ => Kind,
        };
        text += Cell is null ? "" : $" in cell {Cell}";
        text += Layer is null ? "" : $" on layer {Layer}";
        return Number switch
        {
            PlaceNumber.Element => string.Create(CultureInfo.InvariantCulture, $"{text}, element {number}"),
            PlaceNumber.Byte => string.Create(CultureInfo.InvariantCulture, $"{text}, byte {number}"),
            _ => text,
        };
    }
}

/// <summary>What the number of a place is.</summary>
internal enum PlaceNumber : byte
{
    /// <summary>There is none.</summary>
    None,

    /// <summary>The handle of a DXF entity; 0 if it has none.</summary>
    Handle,

    /// <summary>A name, by its index in the table: the id of an SVG element.</summary>
    Name,

    /// <summary>The column of the line.</summary>
    Column,

    /// <summary>Which element of its cell, from 1.</summary>
    Element,

    /// <summary>Where in the file, in bytes from its beginning.</summary>
    Byte,
}
