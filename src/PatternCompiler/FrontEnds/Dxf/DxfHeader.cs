using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>The variables of the HEADER section that matter here.</summary>
internal sealed class DxfHeader
{
    /// <summary>$INSUNITS, 0 if absent.</summary>
    public long InsUnits { get; private set; }

    /// <summary>Line of $INSUNITS, 0 if absent.</summary>
    public int InsUnitsLine { get; private set; }

    /// <summary>$ACADVER, for example "AC1015"; empty if absent.</summary>
    public string Version { get; private set; } = "";

    /// <summary>$DWGCODEPAGE, empty if absent.</summary>
    public string CodePage { get; private set; } = "";

    /// <summary>Reads the section; the reader stands on the pair after its name and ends on ENDSEC.</summary>
    public void Read(DxfTagReader tags)
    {
        string variable = "";
        for (; tags.Code != 0; tags.ReadWithin("section HEADER"))
        {
            switch ((tags.Code, variable))
            {
                case (9, _):
                    variable = tags.Text();
                    break;
                case (70, "$INSUNITS"):
                    InsUnits = tags.Integer();
                    InsUnitsLine = tags.Line;
                    break;
                case (1, "$ACADVER"):
                    Version = tags.Text();
                    break;
                case (3, "$DWGCODEPAGE"):
                    CodePage = tags.Text();
                    break;
            }
        }
    }
}
