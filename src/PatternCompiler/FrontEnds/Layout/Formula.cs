using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>
/// Reads and works out a formula: sums, products, brackets, functions, parameters, numbers with units. Exact decimal
/// arithmetic; a plain number added to a length counts in the default unit.
/// </summary>
/// <param name="scope">The parameters in sight.</param>
/// <param name="defaultUnitPicometres">The document's default unit, 0 if it has none.</param>
internal readonly ref struct Formula(Scope scope, long defaultUnitPicometres)
{
    private const int DeepestNesting = 100;

    /// <summary>Takes a formula.</summary>
    public Amount Take(ref LineScanner scanner) => Take(ref scanner, isLength: false);

    /// <summary>Takes a formula as a length in picometres; a plain number counts in the default unit.</summary>
    public decimal TakeLength(ref LineScanner scanner) => Take(ref scanner, isLength: true).Value;

    // All arithmetic is within, so that an overflow anywhere is one fault.
    private Amount Take(ref LineScanner scanner, bool isLength)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        try
        {
            Amount amount = TakeSum(ref scanner, 0);
            return isLength ? new Amount(ToLength(scanner, amount, start), 1) : amount;
        }
        catch (OverflowException)
        {
            throw scanner.Fault(LayoutCodes.Arithmetic, "the value of this formula is too large", start, "numbers have at most 28 digits before the point");
        }
    }

    private decimal ToLength(in LineScanner scanner, Amount amount, int position)
    {
        if (amount.LengthPower == 0 && amount.Value != 0)
        {
            return defaultUnitPicometres > 0
                ? amount.Value * defaultUnitPicometres
                : throw NoUnit(scanner, position);
        }

        return amount.LengthPower == 1 || amount.Value == 0
            ? amount.Value
            : throw scanner.Fault(LayoutCodes.WrongDimension, $"a length is needed here, but this is {amount.Kind}", position);
    }

    /// <summary>The fault of a bare number where the document has no default unit.</summary>
    public static CompileException NoUnit(in LineScanner scanner, int position) => scanner.Fault(
        LayoutCodes.NoUnit,
        "this length has no unit",
        position,
        $"write one after the number ({LengthUnit.Names}), or set a default near the top with: unit um");

    private Amount TakeSum(ref LineScanner scanner, int depth)
    {
        int start = scanner.Position;
        Amount sum = TakeProduct(ref scanner, depth);
        while (scanner.Peek() is (byte)'+' or (byte)'-')
        {
            int sign = scanner.Text[scanner.Position++] == (byte)'+' ? 1 : -1;
            _ = scanner.AtEnd;
            int position = scanner.Position;
            Amount next = TakeProduct(ref scanner, depth);
            (sum, next) = Align(scanner, sum, start, next, position, "added");
            sum = sum with { Value = sum.Value + (sign * next.Value) };
        }

        return sum;
    }

    private Amount TakeProduct(ref LineScanner scanner, int depth)
    {
        Amount product = TakeFactor(ref scanner, depth);
        while (scanner.Peek() is (byte)'*' or (byte)'/')
        {
            bool isQuotient = scanner.Text[scanner.Position++] == (byte)'/';
            _ = scanner.AtEnd;
            int position = scanner.Position;
            Amount next = TakeFactor(ref scanner, depth);
            if (isQuotient && next.Value == 0)
            {
                throw scanner.Fault(LayoutCodes.Arithmetic, "division by zero", position);
            }

            product = isQuotient
                ? new(product.Value / next.Value, product.LengthPower - next.LengthPower)
                : new(product.Value * next.Value, product.LengthPower + next.LengthPower);
        }

        return product;
    }

    private Amount TakeFactor(ref LineScanner scanner, int depth)
    {
        byte next = scanner.Peek();
        if (depth == DeepestNesting)
        {
            throw scanner.Fault(LayoutCodes.TooMuch, $"this formula is nested more than {DeepestNesting} deep", scanner.Position, "split it with: let name = ...");
        }

        switch (next)
        {
            case (byte)'-' or (byte)'+':
                scanner.Position++;
                Amount operand = TakeFactor(ref scanner, depth + 1);
                return next == (byte)'-' ? operand with { Value = -operand.Value } : operand;
            case (byte)'(':
                scanner.Position++;
                Amount inner = TakeSum(ref scanner, depth + 1);
                scanner.Expect(')', "to close the bracket");
                return inner;
            default:
                return NumberScanner.IsNext(ref scanner) ? TakeNumber(ref scanner) : TakeNamed(ref scanner, depth);
        }
    }

    private static Amount TakeNumber(ref LineScanner scanner)
    {
        decimal number = NumberScanner.Take(ref scanner);
        int start = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: true);
        if (LengthUnit.TryFind(word, out long picometres))
        {
            return new(number * picometres, 1);
        }

        if (word.SequenceEqual("deg"u8))
        {
            return new(number, 0);
        }

        if (word.SequenceEqual("rad"u8))
        {
            return new(number * (180 / FormulaFunction.Pi), 0);
        }

        // Some other word: it belongs to the statement.
        scanner.Position = start;
        return new(number, 0);
    }

    private Amount TakeNamed(ref LineScanner scanner, int depth)
    {
        int start = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: false);
        if (word.Length == 0)
        {
            throw scanner.Unexpected("a number, a parameter or a formula");
        }

        string name = System.Text.Encoding.UTF8.GetString(word);
        if (name == "pi")
        {
            return new(FormulaFunction.Pi, 0);
        }

        if (FormulaFunction.ArgumentCount(name) is int count)
        {
            return TakeCall(ref scanner, name, count, start, depth);
        }

        if (scope.TryFind(name, out Amount value))
        {
            return value;
        }

        string? nearest = NearestWord.Find(name, scope.Names.Concat(FormulaFunction.Names));
        throw scanner.Fault(
            LayoutCodes.UnknownParameter,
            $"there is no parameter '{name}'",
            start,
            nearest is null ? $"define it above with: let {name} = ..." : $"did you mean '{nearest}'?");
    }

    private Amount TakeCall(ref LineScanner scanner, string name, int count, int start, int depth)
    {
        Span<Amount> arguments = stackalloc Amount[count];
        scanner.Expect('(', $"after '{name}'");
        for (int i = 0; i < count; i++)
        {
            if (i > 0)
            {
                scanner.Expect(',', $"and another argument of '{name}', which takes {count}");
            }

            _ = scanner.AtEnd;
            int position = scanner.Position;
            arguments[i] = TakeSum(ref scanner, depth + 1);
            if (i > 0)
            {
                (arguments[0], arguments[i]) = Align(scanner, arguments[0], start, arguments[i], position, $"used together in '{name}'");
            }
        }

        scanner.Expect(')', $"after the {CountText.Word(count, "argument", "arguments")} of '{name}'");
        return FormulaFunction.Call(scanner, name, arguments, start);
    }

    /// <summary>Brings two terms to one dimension: a plain number beside a length counts in the default unit.</summary>
    private (Amount Left, Amount Right) Align(in LineScanner scanner, Amount left, int leftPosition, Amount right, int rightPosition, string how)
    {
        if (left.LengthPower == right.LengthPower)
        {
            return (left, right);
        }

        if ((left.LengthPower == 1 && right.LengthPower == 0) || (left.LengthPower == 0 && right.LengthPower == 1))
        {
            return (new(ToLength(scanner, left, leftPosition), 1), new(ToLength(scanner, right, rightPosition), 1));
        }

        throw scanner.Fault(
            LayoutCodes.WrongDimension,
            $"{left.Kind} and {right.Kind} cannot be {how}",
            rightPosition);
    }
}
