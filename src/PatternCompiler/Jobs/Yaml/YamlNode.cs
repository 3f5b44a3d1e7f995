using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// A value in a YAML file that knows where it stands and which keys lead to it, so that every fault found in it can be
/// reported at its place. The <c>As…</c> methods read it as the wanted type or throw.
/// </summary>
internal abstract class YamlNode(YamlSource source, string path, int line, int column)
{
    private const int LongestQuote = 100;

    private static readonly Choice<bool> Flag = new(("yes", true), ("no", false), ("true", true), ("false", false));
    private static readonly YamlReading AnyText = new YamlReading.Text();

    private List<YamlReading>? readings;

    /// <summary>The file.</summary>
    public YamlSource Source { get; } = source;

    /// <summary>The keys that lead here, such as "dac.bits" or "sources[2].file"; empty at the top.</summary>
    public string Path { get; } = path;

    /// <summary>1-based line.</summary>
    public int Line { get; } = line;

    /// <summary>1-based column.</summary>
    public int Column { get; } = column;

    /// <summary>What it is, for messages, e.g. "a list".</summary>
    public abstract string Form { get; }

    /// <summary>As what it has been read so far.</summary>
    public IReadOnlyList<YamlReading> Readings => readings ?? [];

    /// <summary>How messages name it.</summary>
    public string Name => Path.Length == 0 ? "the file" : $"'{Path}'";

    /// <summary>The place for diagnostics.</summary>
    public SourcePlace Place => new(Source.File, Line, Column);

    /// <summary>An error at this place.</summary>
    public CompileException Error(DiagnosticCode code, string message, string? fix = null) =>
        new(code, message, Place, fix, Source.LineText(Line));

    /// <summary>An error about a value that cannot be.</summary>
    public CompileException OutOfRange(string message, string? fix = null) => Error(JobCodes.ValueOutOfRange, message, fix);

    /// <summary>A mapping.</summary>
    public YamlMapping AsMapping() => this as YamlMapping
        ?? throw Error(JobCodes.WrongType, $"{Name} must be a mapping of keys to values, but it is {Form}", "write its keys below it, one a line and further in, each as 'key: value'");

    /// <summary>The items of a list with at least one item.</summary>
    public IReadOnlyList<YamlNode> AsList()
    {
        YamlList list = this as YamlList
            ?? throw Error(JobCodes.WrongType, $"{Name} must be a list, but it is {Form}", "start each item with a dash");
        return list.Items.Count > 0 ? list.Items : throw Error(JobCodes.WrongType, $"{Name} is an empty list", "add an item or leave the key out");
    }

    /// <summary>A single item, or the items of a list.</summary>
    public IReadOnlyList<YamlNode> AsOneOrMore() => this is YamlScalar ? [this] : AsList();

    /// <summary>A text that is not empty.</summary>
    public string AsText() => AsScalar("a text", AnyText).Text;

    /// <summary>True for a word that is taken here beside other values.</summary>
    public bool IsWord(string word)
    {
        Note(new YamlReading.Word([word]));
        return this is YamlScalar scalar && scalar.Text == word;
    }

    /// <summary>One of a few words.</summary>
    public T AsChoice<T>(Choice<T> choice)
    {
        string text = AsScalar("one word", new YamlReading.Word(choice.Words)).Text;
        if (choice.TryWord(text, out T? value))
        {
            return value;
        }

        string? nearest = NearestWord.Find(text, choice.Words);
        throw Error(
            JobCodes.WrongType,
            $"{Name} must be one of {string.Join(", ", choice.Words.Select(word => $"'{word}'"))}, but it is '{PrintedText.Cut(text, LongestQuote)}'",
            nearest is null ? null : $"did you mean '{nearest}'?");
    }

    /// <summary>Yes or no.</summary>
    public bool AsFlag() => AsChoice(Flag);

    /// <summary>A whole number within limits.</summary>
    public long AsInteger(long minimum, long maximum)
    {
        string text = AsScalar("a whole number", new YamlReading.WholeNumber(minimum, maximum)).Text;
        if (!NumberText.TryParseInteger(text, out long value))
        {
            throw Error(JobCodes.WrongType, $"{Name} must be a whole number, but it is '{PrintedText.Cut(text, LongestQuote)}'");
        }

        return value >= minimum && value <= maximum
            ? value
            : throw OutOfRange($"{Name} must be from {minimum} to {maximum}, but it is {value}");
    }

    /// <summary>A plain number.</summary>
    public double AsReal() => AsReal(double.NegativeInfinity, double.PositiveInfinity);

    /// <summary>A plain number within limits.</summary>
    public double AsReal(double minimum, double maximum)
    {
        string text = AsScalar("a number", new YamlReading.Number(minimum, maximum)).Text;
        if (!NumberText.TryParseReal(text, out double value))
        {
            throw Error(JobCodes.WrongType, $"{Name} must be a number, but it is '{PrintedText.Cut(text, LongestQuote)}'");
        }

        return value >= minimum && value <= maximum
            ? value
            : throw OutOfRange($"{Name} must be from {NumberText.Format(minimum)} to {NumberText.Format(maximum)}, but it is {NumberText.Format(value)}");
    }

    /// <summary>A quantity of one of the wanted dimensions.</summary>
    public Quantity AsQuantity(params ReadOnlySpan<Dimension> wanted) => QuantityOf(wanted, canBeNegative: true);

    /// <summary>A quantity in the given unit.</summary>
    public double AsQuantityIn(Unit unit) => AsQuantity(unit.Dimension).In(unit);

    /// <summary>A quantity above zero, in the given unit.</summary>
    public double AsPositive(Unit unit)
    {
        double value = QuantityOf([unit.Dimension], canBeNegative: false).In(unit);
        return value > 0 ? value : throw OutOfRange($"{Name} must be above zero, but it is {PrintedText.Cut(AsText(), LongestQuote)}");
    }

    /// <summary>A quantity of zero or more, in the given unit.</summary>
    public double AsNonNegative(Unit unit)
    {
        double value = QuantityOf([unit.Dimension], canBeNegative: false).In(unit);
        return value >= 0 ? value : throw OutOfRange($"{Name} cannot be negative, but it is {PrintedText.Cut(AsText(), LongestQuote)}");
    }

    /// <summary>Refuses the first key here or below that nothing has read.</summary>
    internal virtual void RefuseUnread()
    {
    }

    private Quantity QuantityOf(ReadOnlySpan<Dimension> wanted, bool canBeNegative)
    {
        string text = AsScalar(DimensionText.NameOf(wanted), new YamlReading.Amount([.. wanted], canBeNegative)).Text;
        return Quantity.TryParse(text, wanted, out Quantity quantity, out QuantityFault? fault)
            ? quantity
            : throw Error(fault.Code, $"{Name} {fault.Problem}", fault.Fix);
    }

    private YamlScalar AsScalar(string wanted, YamlReading reading)
    {
        Note(reading);
        YamlScalar scalar = this as YamlScalar
            ?? throw Error(JobCodes.WrongType, $"{Name} must be {wanted}, but it is {Form}");
        return scalar.Text.Length > 0
            ? scalar
            : throw Error(JobCodes.WrongType, $"{Name} has no value", $"give it {wanted} or leave it out");
    }

    private void Note(YamlReading reading) => (readings ??= []).Add(reading);
}

/// <summary>A list of values.</summary>
internal sealed class YamlList(YamlSource source, string path, int line, int column, IReadOnlyList<YamlNode> items)
    : YamlNode(source, path, line, column)
{
    /// <summary>The items in file order.</summary>
    public IReadOnlyList<YamlNode> Items { get; } = items;

    /// <inheritdoc/>
    public override string Form => "a list";

    /// <inheritdoc/>
    internal override void RefuseUnread()
    {
        foreach (YamlNode item in Items)
        {
            item.RefuseUnread();
        }
    }
}

/// <summary>A single value as text; empty where the file leaves the value out.</summary>
internal sealed class YamlScalar(YamlSource source, string path, int line, int column, string text)
    : YamlNode(source, path, line, column)
{
    /// <summary>The text without quotes.</summary>
    public string Text { get; } = text;

    /// <inheritdoc/>
    public override string Form => Text.Length == 0 ? "empty" : $"'{Text}'";
}
