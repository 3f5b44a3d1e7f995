using System.Globalization;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Writes the pairs of a DXF file; lengths in grid steps come out as micrometres.</summary>
internal sealed class DxfOutput(Stream target, long gridPicometres)
{
    private readonly Utf8Output text = new(target);

    /// <summary>A pair with a text value. Characters outside ASCII are written as \U+XXXX, which any version can hold.</summary>
    public void Text(int code, string value)
    {
        text.Text(code.ToString(CultureInfo.InvariantCulture));
        text.EndLine();
        text.Text(string.Concat(value.Select(c => char.IsAscii(c) ? c.ToString() : $"\\U+{(int)c:X4}")));
        text.EndLine();
    }

    /// <summary>A pair with a whole number.</summary>
    public void Integer(int code, long value) => Text(code, value.ToString(CultureInfo.InvariantCulture));

    /// <summary>A pair with a plain number.</summary>
    public void Real(int code, double value) => Text(code, NumberText.Format(value));

    /// <summary>A pair with a length.</summary>
    /// <param name="code">Group code.</param>
    /// <param name="steps">Length in grid steps; halves and less are kept.</param>
    public void Length(int code, double steps) =>
        Text(code, ((decimal)steps * gridPicometres / 1_000_000m).ToString("0.#########", CultureInfo.InvariantCulture));

    /// <summary>The three pairs of a point.</summary>
    public void Point(PlanePoint point)
    {
        Length(10, point.X);
        Length(20, point.Y);
        Text(30, "0");
    }

    /// <summary>Starts an entity on a layer.</summary>
    public void Entity(string type, string layer)
    {
        Text(0, type);
        Text(8, layer);
    }

    /// <summary>Hands everything so far to the target.</summary>
    public void Flush() => text.Flush();
}
