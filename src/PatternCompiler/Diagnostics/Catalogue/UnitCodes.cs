namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of quantities.</summary>
internal static class UnitCodes
{
    /// <summary>Text that is no number with a unit.</summary>
    public static readonly DiagnosticCode NotAQuantity = new(
        "PC0101",
        DiagnosticKind.Input,
        "not a quantity",
        "A quantity is a number with a decimal point and a unit, such as 2.5 us. Thousands separators and decimal commas are refused, because a dose read wrong by a factor of ten or a thousand ruins the sample without a word.");

    /// <summary>A number without its unit.</summary>
    public static readonly DiagnosticCode MissingUnit = new(
        "PC0102",
        DiagnosticKind.Input,
        "unit missing",
        "A bare number leaves open whether nanometres or micrometres are meant. Write the unit after it, such as 20 nm.");

    /// <summary>A unit that does not exist.</summary>
    public static readonly DiagnosticCode UnknownUnit = new(
        "PC0103",
        DiagnosticKind.Input,
        "unknown unit",
        "The unit is not in the table. Upper and lower case differ: mV is a thousandth of a volt, MV a million volts. Micro is written u or µ.");

    /// <summary>A quantity that measures something else.</summary>
    public static readonly DiagnosticCode WrongDimension = new(
        "PC0104",
        DiagnosticKind.Input,
        "wrong kind of quantity",
        "The value has a unit of another kind than its key needs, such as a voltage where a length belongs. Use a unit of the kind named in the message.");
}
