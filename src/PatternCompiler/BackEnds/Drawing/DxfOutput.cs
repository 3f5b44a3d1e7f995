using System.Buffers.Text;
using System.Globalization;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes the pairs of a DXF file, and gives every object its handle; lengths in grid steps come out as micrometres. Text is
/// UTF-8, as in every version since AC1021.
/// </summary>
internal sealed class DxfOutput(Stream target, long gridPicometres)
{
    private const int LongestHandle = 16;

    private readonly Utf8Output text = new(target);

    /// <summary>Handle that the next object gets.</summary>
    public long NextHandle { get; private set; } = 1;

    /// <summary>Handle of the table or block record that the objects to come belong to.</summary>
    public long Owner { get; set; }

    /// <summary>A pair with a text value.</summary>
    public void Text(int code, string value)
    {
        Code(code);
        text.Text(value);
        text.EndLine();
    }

    /// <summary>A pair with a text value in UTF-8.</summary>
    public void Text(int code, ReadOnlySpan<byte> value)
    {
        Code(code);
        text.Raw(value);
        text.EndLine();
    }

    /// <summary>A pair with a whole number.</summary>
    public void Integer(int code, long value)
    {
        Code(code);
        text.FixedBare(value, 0);
        text.EndLine();
    }

    /// <summary>A pair with a plain number.</summary>
    public void Real(int code, double value) => Text(code, NumberText.Format(value));

    /// <summary>A pair with a length.</summary>
    /// <param name="code">Group code.</param>
    /// <param name="steps">Length in grid steps; halves and less are kept.</param>
    public void Length(int code, double steps)
    {
        if (steps == (int)steps)
        {
            Code(code);
            text.FixedBare((long)steps * gridPicometres, 6);
            text.EndLine();
        }
        else
        {
            Text(code, ((decimal)steps * gridPicometres / 1_000_000m).ToString("0.#########", CultureInfo.InvariantCulture));
        }
    }

    /// <summary>The two pairs of a point in the plane.</summary>
    public void Point(GridPoint point)
    {
        Length(10, point.X);
        Length(20, point.Y);
    }

    /// <summary>The three pairs of a point.</summary>
    public void Point(PlanePoint point)
    {
        Length(10, point.X);
        Length(20, point.Y);
        Text(30, "0");
    }

    /// <summary>Starts an object with a handle and an owner.</summary>
    /// <returns>The handle.</returns>
    public long Object(string type, int handleCode = 5)
    {
        long handle = TakeHandle();
        Text(0, type);
        Handle(handleCode, handle);
        Handle(330, Owner);
        return handle;
    }

    /// <summary>Takes the next handle.</summary>
    public long TakeHandle() => NextHandle++;

    /// <summary>Starts an entity on a layer.</summary>
    public void Entity(string type, string layer, string subclass)
    {
        Object(type);
        Text(100, "AcDbEntity");
        Text(8, layer);
        Text(100, subclass);
    }

    /// <summary>A pair that refers to an object.</summary>
    public void Handle(int code, long handle)
    {
        Code(code);
        Span<byte> digits = stackalloc byte[LongestHandle];
        Utf8Formatter.TryFormat(handle, digits, out int written, 'X');
        text.Raw(digits[..written]);
        text.EndLine();
    }

    /// <summary>Hands everything so far to the target.</summary>
    public void Flush() => text.Flush();

    private void Code(int code)
    {
        text.FixedBare(code, 0);
        text.EndLine();
    }
}
