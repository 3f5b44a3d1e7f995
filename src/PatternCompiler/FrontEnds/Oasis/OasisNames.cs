using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Gdsii;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Names of cells by number, given in order or with their numbers, anywhere in the file.</summary>
internal sealed class OasisNames
{
    private readonly Dictionary<long, string> names = [];
    private long next;

    /// <summary>Reads a record that names a cell.</summary>
    public void Read(OasisBytes bytes, bool hasNumber)
    {
        string name = bytes.Text();
        long number = hasNumber ? bytes.Unsigned() : next++;
        if (!names.TryAdd(number, name))
        {
            throw bytes.Fault($"cell number {number} is named twice, {names[number]} and {name}");
        }
    }

    /// <summary>Cells with all names in place.</summary>
    public List<GdsiiCell> Resolve(IEnumerable<OasisCell> cells, OasisBytes bytes)
    {
        var resolved = new List<GdsiiCell>();
        var taken = new HashSet<string>(StringComparer.Ordinal);
        foreach (OasisCell cell in cells)
        {
            var named = new GdsiiCell(NameOf(cell.Key, cell.Position, bytes), cell.Position) { Ignored = cell.Ignored };
            if (!taken.Add(named.Name))
            {
                throw new CompileException(GdsiiCodes.DuplicateCell, $"cell {named.Name} is defined twice", bytes.PlaceAt(cell.Position), "rename one of them");
            }

            named.Shapes.AddRange(cell.Shapes);
            named.Instances.AddRange(cell.Instances.Select(i => (i.Instance with { CellName = NameOf(i.Key, i.Position, bytes) }, i.Position)));
            resolved.Add(named);
        }

        return resolved;
    }

    private string NameOf(OasisCellKey key, long position, OasisBytes bytes) =>
        key.Name ?? names.GetValueOrDefault(key.Number) ?? throw new CompileException(
            GdsiiCodes.UnknownCell, $"cell number {key.Number} has no name", bytes.PlaceAt(position), "the file is damaged: export it again");
}
