using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Reads the data of a path (SVG 2, 9.3): every command, relative and absolute.</summary>
internal ref struct SvgPathData
{
    private readonly SvgContext context;
    private readonly SvgElement element;
    private readonly List<SvgSubpath> subpaths = [];
    private SvgScanner scanner;
    private PlanePoint current;
    private PlanePoint lastControl;
    private char lastCommand;

    private SvgPathData(SvgContext context, SvgElement element, string data)
    {
        this.context = context;
        this.element = element;
        scanner = new SvgScanner(data);
    }

    /// <summary>The subpaths of an element's <c>d</c> attribute.</summary>
    public static List<SvgSubpath> Parse(SvgContext context, SvgElement element, string data)
    {
        var parser = new SvgPathData(context, element, data);
        parser.Run();
        return parser.subpaths;
    }

    private void Run()
    {
        while (!scanner.AtEnd)
        {
            char command = scanner.Peek();
            if (!char.IsAsciiLetter(command) || (subpaths.Count == 0 && command is not ('M' or 'm')))
            {
                throw Fault(subpaths.Count == 0 ? "M to start with" : "a command");
            }

            scanner.Take();
            bool isFirst = true;
            do
            {
                Execute(command, isFirst);
                isFirst = false;
                scanner.SkipSeparator();
            }
            while (command is not ('Z' or 'z') && !scanner.AtEnd && !char.IsAsciiLetter(scanner.Peek()));
        }
    }

    private void Execute(char command, bool isFirst)
    {
        bool isRelative = char.IsAsciiLetterLower(command);
        PlanePoint origin = isRelative ? current : default;
        switch (char.ToUpperInvariant(command))
        {
            case 'M' when isFirst:
                current = origin + Pair();
                subpaths.Add(new SvgSubpath(current));
                break;
            case 'M' or 'L':
                Add(new SvgBezier(origin + Pair()));
                break;
            case 'H':
                Add(new SvgBezier(new PlanePoint(origin.X + Number(), current.Y)));
                break;
            case 'V':
                Add(new SvgBezier(new PlanePoint(current.X, origin.Y + Number())));
                break;
            case 'C':
                AddCubic(origin + Pair(), origin);
                break;
            case 'S':
                AddCubic(lastCommand is 'C' or 'S' ? current + current - lastControl : current, origin);
                break;
            case 'Q':
                AddQuadratic(origin + Pair(), origin);
                break;
            case 'T':
                AddQuadratic(lastCommand is 'Q' or 'T' ? current + current - lastControl : current, origin);
                break;
            case 'A':
                AddArc(origin);
                break;
            case 'Z':
                Open().IsClosed = true;
                current = subpaths[^1].Start;
                break;
            default:
                throw context.Fault(SvgCodes.BadPath, $"path data has no command '{command}'", element, "commands are M L H V C S Q T A Z");
        }

        lastCommand = char.ToUpperInvariant(command);
    }

    private void AddCubic(PlanePoint first, PlanePoint origin)
    {
        PlanePoint second = origin + Pair();
        Add(new SvgBezier(first, second, origin + Pair()));
        lastControl = second;
    }

    private void AddQuadratic(PlanePoint control, PlanePoint origin)
    {
        Add(new SvgBezier(control, origin + Pair()));
        lastControl = control;
    }

    private void AddArc(PlanePoint origin)
    {
        PlanePoint radii = Pair();
        double degrees = Number();
        bool isLarge = Flag();
        bool isSweep = Flag();
        PlanePoint end = origin + Pair();
        if (end != current)
        {
            Add(SvgArc.FromEnds(current, end, radii.X, radii.Y, degrees, isLarge, isSweep));
        }
    }

    private void Add(SvgSegment segment)
    {
        Open().Segments.Add(segment);
        current = segment.End;
    }

    /// <summary>The subpath that goes on; after Z a new one starts where the old one did.</summary>
    private readonly SvgSubpath Open()
    {
        if (subpaths[^1].IsClosed)
        {
            subpaths.Add(new SvgSubpath(current));
        }

        return subpaths[^1];
    }

    private PlanePoint Pair()
    {
        double x = Number();
        return new(x, Number());
    }

    private double Number()
    {
        scanner.SkipSeparator();
        return scanner.TryTakeNumber(out double value) ? value : throw Fault("a number");
    }

    private bool Flag()
    {
        scanner.SkipSeparator();
        return scanner.TryTakeFlag(out bool value) ? value : throw Fault("a flag, 0 or 1");
    }

    private readonly CompileException Fault(string expected) => context.Fault(
        SvgCodes.BadPath,
        $"path data is wrong at character {scanner.Position + 1}: expected {expected}, found {scanner.Excerpt()}",
        element,
        "fix the path in the drawing program");
}
