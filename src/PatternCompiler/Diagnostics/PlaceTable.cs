namespace PatternCompiler.Diagnostics;

/// <summary>
/// What the places of a layout's shapes mean. Shapes hold eight bytes each; file, kind, cell and layer are kept once for all that
/// share them, and only names (SVG ids) and what does not fit eight bytes take room of their own.
/// </summary>
internal sealed class PlaceTable
{
    private const int NumberBits = 24;
    private const int LineBits = 26;
    private const int WordShift = NumberBits + LineBits;
    private const ulong LargeWord = (1UL << (64 - WordShift)) - 1;
    private const ulong FusedWord = LargeWord - 1;

    private readonly List<PlaceWord> words = [];
    private readonly Dictionary<PlaceWord, int> numbers = [];
    private readonly List<string> names = [];
    private readonly List<(int Word, int Line, ulong Number)> large = [];
    private readonly List<PlaceId[]> fused = [];
    private PlaceWord last;
    private int lastNumber;

    /// <summary>The words in the order in which they came; a place names them by their number, from 1.</summary>
    public IReadOnlyList<PlaceWord> Words => words;

    /// <summary>The names in the order in which they came; a place names them by their number, from 1.</summary>
    public IReadOnlyList<string> Names => names;

    /// <summary>The number of what many places share, from 1.</summary>
    public int NumberOf(in PlaceWord word)
    {
        // What is drawn alike mostly stands together.
        if (lastNumber > 0 && last == word)
        {
            return lastNumber;
        }

        if (!numbers.TryGetValue(word, out int number))
        {
            words.Add(word);
            number = words.Count;
            numbers.Add(word, number);
        }

        (last, lastNumber) = (word, number);
        return number;
    }

    /// <summary>The number of a name, from 1; every call makes one.</summary>
    public int AddName(string name)
    {
        names.Add(name);
        return names.Count;
    }

    /// <summary>A place.</summary>
    /// <param name="word">Number of what it shares with others.</param>
    /// <param name="line">1-based line; 0 for none.</param>
    /// <param name="number">A number of the kind that the word says.</param>
    public PlaceId At(int word, int line = 0, ulong number = 0)
    {
        if ((ulong)word < FusedWord && line < 1 << LineBits && number < 1 << NumberBits)
        {
            return new(((ulong)(uint)word << WordShift) | ((ulong)(uint)line << NumberBits) | number);
        }

        large.Add((word, line, number));
        return new((LargeWord << WordShift) | (uint)(large.Count - 1));
    }

    /// <summary>The place of a polygon whose rings were drawn one by one.</summary>
    /// <param name="rings">Where each of its rings was drawn.</param>
    public PlaceId Fuse(PlaceId[] rings)
    {
        fused.Add(rings);
        return new((FusedWord << WordShift) | (uint)(fused.Count - 1));
    }

    /// <summary>Where each ring of a polygon was drawn; null where the polygon is one thing of the drawing.</summary>
    public IReadOnlyList<PlaceId>? RingsOf(PlaceId place) =>
        place.Bits >> WordShift == FusedWord ? fused[(int)(place.Bits & ((1UL << WordShift) - 1))] : null;

    /// <summary>The parts of a place; null where nobody knows, and for a polygon whose rings have places of their own.</summary>
    public (int Word, int Line, ulong Number)? Parts(PlaceId place)
    {
        ulong word = place.Bits >> WordShift;
        return word switch
        {
            0 or FusedWord => null,
            LargeWord => large[(int)(place.Bits & ((1UL << WordShift) - 1))],
            _ => ((int)word, (int)((place.Bits >> NumberBits) & ((1 << LineBits) - 1)), place.Bits & ((1 << NumberBits) - 1)),
        };
    }

    /// <summary>The place as messages name it; null where nobody knows.</summary>
    public SourcePlace? Find(PlaceId place)
    {
        if (Parts(place) is not (int word, int line, ulong number))
        {
            return null;
        }

        PlaceWord shared = words[word - 1];
        string? name = shared.Number == PlaceNumber.Name ? names[(int)number - 1] : null;
        return new SourcePlace(shared.File, line, shared.Number == PlaceNumber.Column ? (int)number : 0, shared.Entity(number, name));
    }

    /// <summary>What the place is of, without line and number.</summary>
    public PlaceWord? WordOf(PlaceId place) => Parts(place) is (int word, _, _) ? words[word - 1] : null;

    /// <summary>A place of another table as one of this.</summary>
    public PlaceId Adopt(PlaceTable other, PlaceId place)
    {
        if (other.RingsOf(place) is { } rings)
        {
            return Fuse([.. rings.Select(ring => Adopt(other, ring))]);
        }

        if (other.Parts(place) is not (int word, int line, ulong number))
        {
            return default;
        }

        PlaceWord shared = other.words[word - 1];
        ulong own = shared.Number == PlaceNumber.Name ? (ulong)AddName(other.names[(int)number - 1]) : number;
        return At(NumberOf(shared), line, own);
    }
}
