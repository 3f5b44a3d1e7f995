using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>Reads entities one after the other and hands them to the drawing.</summary>
internal sealed class EntityStream
{
    private const int FirstApplicationCode = 1000;
    private const int EmbeddedObjectCode = 101;

    private readonly DxfTagReader tags;
    private readonly NameTable names;
    private readonly DrawingBuilder drawing;
    private readonly bool? textAsStrokes;
    private readonly CancellationToken cancellation;
    private readonly EntityHeader header = new();
    private readonly EntityHeader partHeader = new();
    private readonly PolylineParser polyline = new();
    private readonly Dictionary<string, EntityParser> parsers;

    public EntityStream(DxfTagReader tags, NameTable names, DrawingBuilder drawing, bool? textAsStrokes, CancellationToken cancellation)
    {
        this.tags = tags;
        this.names = names;
        this.drawing = drawing;
        this.textAsStrokes = textAsStrokes;
        this.cancellation = cancellation;
        parsers = new(StringComparer.Ordinal)
        {
            ["LINE"] = new LineParser(),
            ["CIRCLE"] = new CircleParser(isArc: false),
            ["ARC"] = new CircleParser(isArc: true),
            ["POINT"] = new PointParser(),
            ["LWPOLYLINE"] = new LwPolylineParser(),
            ["POLYLINE"] = polyline,
            ["ELLIPSE"] = new EllipseParser(),
            ["SPLINE"] = new SplineParser(),
            ["HATCH"] = new HatchParser(),
            ["SOLID"] = new CornersParser(crossed: true),
            ["TRACE"] = new CornersParser(crossed: true),
            ["3DFACE"] = new CornersParser(crossed: false),
            ["INSERT"] = new InsertParser(names),
        };
        if (textAsStrokes == true)
        {
            parsers.Add("TEXT", new TextParser(isMultiline: false));
            parsers.Add("MTEXT", new TextParser(isMultiline: true));
        }
    }

    /// <summary>Reads up to the mark, on which the reader then stands. The reader stands on the first entity's type.</summary>
    public void ReadUpTo(ReadOnlySpan<byte> mark)
    {
        while (!tags.IsMark(mark))
        {
            cancellation.ThrowIfCancellationRequested();
            if (tags.IsMark("SECTION"u8) || tags.IsMark("ENDSEC"u8) || tags.IsMark("EOF"u8))
            {
                throw new CompileException(DxfCodes.Truncated,
                    $"{tags.Text()} comes before {System.Text.Encoding.ASCII.GetString(mark)}", tags.Place(), "a part is missing: export the drawing again");
            }

            ReadEntity();
        }
    }

    private void ReadEntity()
    {
        string type = names.Get(tags);
        header.Begin(type, tags.Line);
        EntityParser? parser = parsers.GetValueOrDefault(type);
        parser?.Begin();
        ReadPairs(type, header, parser);
        if (parser == polyline)
        {
            ReadVertices();
        }

        ReadAttributes();
        if (parser is null)
        {
            LeaveOut(header, ReasonNotToRead(type));
        }
        else if (parser.End(header, tags.Name, out string? reason) is { } entity)
        {
            drawing.Add(header, header.IsMarkedAsLine && entity is OutlineEntity outline ? outline with { IsLine = true } : entity);
        }
        else
        {
            LeaveOut(header, reason);
        }
    }

    // A parser gives no reason where there is nothing to expose.
    private void LeaveOut(EntityHeader left, string? reason)
    {
        if (reason is null)
        {
            drawing.Ignore(left, null);
        }
        else
        {
            drawing.Lose(left, reason);
        }
    }

    // Of some types nothing could be exposed: endless construction lines, windows onto the drawing, lights, and the patterns of
    // attributes, which are seen only where a block is placed.
    private string? ReasonNotToRead(string type) => type switch
    {
        "XLINE" or "RAY" or "VIEWPORT" or "LIGHT" or "SUN" or "ATTDEF" => null,
        "TEXT" or "MTEXT" or "ATTRIB" when textAsStrokes == false => null,
        "TEXT" or "MTEXT" => "text is not read as strokes",
        _ => "a type that is not read",
    };

    private void ReadPairs(string type, EntityHeader into, EntityParser? parser)
    {
        bool embedded = false;
        for (tags.ReadWithin(type); tags.Code != 0; tags.ReadWithin(type))
        {
            embedded |= tags.Code == EmbeddedObjectCode;
            if (tags.Code >= FirstApplicationCode)
            {
                into.TakeMark(tags);
            }
            else if (!embedded && !into.Take(tags, names))
            {
                parser?.Take(tags);
            }
        }
    }

    private void ReadVertices()
    {
        while (tags.IsMark("VERTEX"u8))
        {
            polyline.BeginVertex();
            for (tags.ReadWithin("VERTEX"); tags.Code != 0; tags.ReadWithin("VERTEX"))
            {
                polyline.TakeVertex(tags);
            }

            polyline.EndVertex();
        }

        SkipEndOfSequence();
    }

    private void ReadAttributes()
    {
        while (tags.IsMark("ATTRIB"u8))
        {
            partHeader.Begin("ATTRIB", tags.Line);
            ReadPairs("ATTRIB", partHeader, null);
            LeaveOut(partHeader, ReasonNotToRead("ATTRIB"));
        }

        SkipEndOfSequence();
    }

    private void SkipEndOfSequence()
    {
        if (tags.IsMark("SEQEND"u8))
        {
            do
            {
                tags.ReadWithin("SEQEND");
            }
            while (tags.Code != 0);
        }
    }
}
