using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Runs.Steps;

namespace PatternCompiler.Tests.Runs;

/// <summary>What the operator is asked, word for word, and what is an answer.</summary>
public sealed class RunChecklistTests
{
    private static readonly string[] Common =
    [
        "start/rules: Are the interlocks of the microscope closed, and are the laboratory's rules for high voltage, X-rays and vacuum kept (Yes)",
        "start/sample: Is the sample in, with the resist of process 'thin', which is positive (Yes)",
        "start/energy: Does the microscope stand at 30 keV, as machine 'bench' says (Yes)",
        "start/magnification: Does it stand at the magnification and working distance where the field is 100 um wide (Yes)",
        "start/scan: Is the scan input on, and are both of its cables plugged in (Yes)",
    ];

    [Fact]
    public void The_checklist_follows_from_the_settings()
    {
        Assert.Equal(
            [
                .. Common,
                "start/polarity: Is the controller set to a blank line that turns the beam off when high (Yes)",
                "start/blanked current: Current on the sample with the beam blanked (Current)",
                "start/current: Beam current on the sample (Current)",
                "start/door shut?: door shut (Yes)",
                "start/all well.: all well (Yes)",
            ],
            Start("run: {checks: [door shut?, all well.]}", RunCase.Machine));
        Assert.Equal(
            [
                Common[0],
                "start/sample: Is the sample in, with the resist of process 'thin', which is negative (Yes)",
                Common[2],
                "start/magnification: Does it stand at the magnification and working distance where the field is 100 um by 80.5 um (Yes)",
                Common[4],
                "start/polarity: Is the controller set to a blank line that turns the beam off when low (Yes)",
                "start/blanked current: Current on the sample with the beam blanked (Current)",
                "start/park: Is nothing of worth under (-3.25, 40) um of the field, where the beam waits (Yes)",
                "start/current: Beam current on the sample (Current)",
            ],
            Start("", RunCase.Machine.Replace("field: 100 um", "field_width: 100 um, field_height: 80.5 um", StringComparison.Ordinal).Replace("active: high", "active: low", StringComparison.Ordinal) + "park: [-3.25 um, 40 um]\n", isNegative: true));

        // Without a blanker the beam is on all the time.
        string machine = RunCase.Machine.Replace("blanker: {active: high}", "blanker: none", StringComparison.Ordinal);
        Assert.Equal(
            [.. Common, "start/park: There is no blanker: is nothing of worth in the lower left corner of the field, where the beam waits (Yes)", "start/current: Beam current on the sample (Current)"],
            Start("", machine));
        Assert.Equal(
            [.. Common, "start/park: Is nothing of worth under (1, -2) um of the field, where the beam waits (Yes)", "start/current: Beam current on the sample (Current)"],
            Start("", machine + "park: [1 um, -2 um]\n"));
    }

    [Fact]
    public void Before_each_step_is_asked_what_it_needs()
    {
        BuildSettings settings = RunCase.Settings("run: {readings: [current, focus, stage], copies: [{focus: -2 um}, {name: b}]}\n");
        var steps = RunCase.Steps(settings, "rect on a from (0, 0) to (1, 1)\n");
        Assert.Equal(
            ["copy 1/focus set: Is the focus set to -2 um (Yes)", "copy 1/focus: Focus that the microscope shows (Text)", "copy 1/stage reading: What the stage shows (Text)"],
            Told(RunChecklist.Before(steps[0], null, settings)));
        Assert.Equal(
            ["b/current: Beam current on the sample (Current)", "b/focus: Focus that the microscope shows (Text)", "b/stage reading: What the stage shows (Text)"],
            Told(RunChecklist.Before(steps[1], steps[0], settings)));

        BuildSettings plain = RunCase.Settings("");
        RunStep only = RunCase.Steps(plain, "rect on a from (0, 0) to (1, 1)\n").Single();
        Assert.Empty(RunChecklist.Before(only, null, plain));
        Assert.Equal(["pattern/go on: Go on with pattern (Yes)"], Told(RunChecklist.Before(only, only, plain)));
    }

    [Fact]
    public void A_stage_is_asked_for_where_it_stands_and_how_it_came()
    {
        BuildSettings settings = RunCase.Settings(
            "fields: {size: 40 um, margin: 2 um, first: [-20 um, 0 um]}\nsample: {offset: [0 um, 0 um], focus: {at_origin: 10.02 mm, slope_x: 0.1 %}}\n", RunCase.Machine + RunCase.Stage);
        var steps = RunCase.Steps(settings, "rect on a from (-30, 1) to (-29, 3)\nrect on a from (20, -5) to (22, -3)\n");
        Assert.Equal(
            [
                "r01c02/stage: Does the stage show (0, -18) um, having come from (-10, -23) um (Yes)",
                "r01c02/working distance: Is the focus set to a working distance of 10.02 mm (Yes)",
            ],
            Told(RunChecklist.Before(steps[1], steps[0], settings)));
        RunStep moved = steps[1] with { Position = steps[1].Position with { StageXNanometres = -1234.56, StageYNanometres = -0.04, Details = steps[1].Position.Details with { StartNanometres = null, FocusNanometres = null } } };
        Assert.Equal(["r01c02/stage: Does the stage show (-1.2346, 0) um (Yes)"], Told(RunChecklist.Before(moved, steps[0], settings)));

        // Halves of a tenth of a nanometre go away from zero.
        moved = moved with { Position = moved.Position with { StageXNanometres = 0.25, StageYNanometres = -0.05 } };
        Assert.Equal(["r01c02/stage: Does the stage show (0.0003, -0.0001) um (Yes)"], Told(RunChecklist.Before(moved, steps[0], settings)));
    }

    /// <summary>A hundredth of the current beside what the blanker is known to let through.</summary>
    [Fact]
    public void A_blanked_beam_may_leak_what_is_known()
    {
        Assert.Equal(1e-12, RunChecklist.LargestBlanked(RunCase.Settings("").Machine), 1e-18);
        Assert.Equal(3e-12, RunChecklist.LargestBlanked(RunCase.Settings("", RunCase.Machine.Replace("active: high", "active: high, leak: 2 %", StringComparison.Ordinal)).Machine), 1e-18);
    }

    [Theory]
    [InlineData("Yes", "yes", null)]
    [InlineData("Yes", "no", null)]
    [InlineData("Yes", "Yes", "takes yes or no")]
    [InlineData("Yes", "", "takes yes or no")]
    [InlineData("Current", "98 pA", null)]
    [InlineData("Current", "0 pA", null)]
    [InlineData("Current", "-1 pA", "takes a current such as 98 pA")]
    [InlineData("Current", "98", "takes a current such as 98 pA")]
    [InlineData("Current", "98 nm", "takes a current such as 98 pA")]
    [InlineData("Text", "8 mm", null)]
    [InlineData("Text", "8", null)]
    [InlineData("Text", " ", "takes a text")]
    public void An_answer_is_of_the_kind_of_its_question(string kind, string answer, string? fault) =>
        Assert.Equal(fault, new RunQuestion("a", "b", "c", Enum.Parse<RunAnswerKind>(kind)).FaultOf(answer));

    [Fact]
    public void A_file_answers_a_question_or_that_of_any_step()
    {
        RunQuestion[] questions = [new("a", "stage", "?", RunAnswerKind.Yes), new("b", "stage", "?", RunAnswerKind.Yes), new("b", "current", "?", RunAnswerKind.Current)];
        RunAnswers answers = RunAnswers.Parse("any/stage: yes\nb/stage: no\n", "answers.yaml", questions);
        Assert.Equal(["yes", "no", null], questions.Select(answers.To));
        answers = RunAnswers.Parse("b/current: 7 pA\n", "answers.yaml", questions);
        Assert.Equal([null, null, "7 pA"], questions.Select(answers.To));
    }

    [Theory]
    [InlineData("\nb/curent: 7 pA\n", "answers.yaml:2:1: error PC2216: no question of this run is 'b/curent'; is 'b/current' meant?")]
    [InlineData("a/b: 1\nanything at all of this length: 7 pA\n", "answers.yaml:1:1: error PC2216: no question of this run is 'a/b'; 'patternc run --dry-run' prints all questions")]
    [InlineData("b/current: 7 nm\n", "answers.yaml:1:12: error PC2216: 'b/current' takes a current such as 98 pA, not '7 nm'")]
    [InlineData("any/stage: perhaps\n", "answers.yaml:1:12: error PC2216: 'any/stage' takes yes or no, not 'perhaps'")]
    public void A_line_that_answers_nothing_is_refused(string text, string expected)
    {
        RunQuestion[] questions = [new("a", "stage", "?", RunAnswerKind.Yes), new("b", "current", "?", RunAnswerKind.Current)];
        Assert.Equal(expected, Assert.Throws<CompileException>(() => RunAnswers.Parse(text, "answers.yaml", questions)).Diagnostic.ToString().Split('\n')[0]);
    }

    /// <summary>The groups of one field are written from where the stage stands: it is asked for before the first of them alone, as the working distance is.</summary>
    [Fact]
    public void A_stage_that_stays_is_asked_for_once()
    {
        BuildSettings settings = RunCase.Settings(
            "fields: {size: 40 um, margin: 2 um, first: [-20 um, 0 um]}\nrun: {groups: {fine: b}}\nsample: {offset: [0 um, 0 um], focus: {at_origin: 10.02 mm}}\n", RunCase.Machine + RunCase.Stage);
        var steps = RunCase.Steps(settings, "rect on a from (-30, 1) to (-29, 3)\nrect on b from (-30, 5) to (-29, 6)\nrect on a from (20, -5) to (22, -3)\n");
        Assert.Equal(["r01c01 fine", "r01c01 rest", "r01c02 rest"], steps.Select(step => step.Name));
        Assert.Equal(["r01c01 rest/go on: Go on with r01c01 rest (Yes)"], Told(RunChecklist.Before(steps[1], steps[0], settings)));
        Assert.Equal(["stage", "working distance"], RunChecklist.Before(steps[2], steps[1], settings).Select(question => question.Name));
        Assert.Equal(["stage", "working distance"], RunChecklist.Before(steps[1], null, settings).Select(question => question.Name));
    }

    /// <summary>The whole run's questions are those of its start, then those before each step; where it may be resumed also those that a step is asked alone, each once.</summary>
    [Fact]
    public void All_questions_are_those_of_the_start_and_of_each_step()
    {
        BuildSettings settings = RunCase.Settings("run: {readings: [current], copies: [{focus: -2 um}, {name: b, focus: -2 um}]}\n");
        var steps = RunCase.Steps(settings, "rect on a from (0, 0) to (1, 1)\n");
        string[] start = [.. RunChecklist.Start(settings).Select(question => question.Key)];
        Assert.Equal([.. start, "copy 1/focus set", "b/current"], RunChecklist.All(steps, settings).Select(question => question.Key));
        Assert.Equal([.. start, "copy 1/focus set", "b/current", "b/focus set"], RunChecklist.WithResumed(steps, settings).Select(question => question.Key));
    }

    /// <summary>Lengths of the field have four digits.</summary>
    [Fact]
    public void The_width_of_the_field_is_asked_for_in_four_digits() => Assert.Equal(
        "start/magnification: Does it stand at the magnification and working distance where the field is 123.5 um by 98.77 um (Yes)",
        Start("", RunCase.Machine.Replace("field: 100 um", "field_width: 123.456 um, field_height: 98.7654 um", StringComparison.Ordinal))[3]);

    /// <summary>Of what is longer than 80 characters the message has the beginning and the end.</summary>
    [Theory]
    [InlineData(80, true)]
    [InlineData(81, false)]
    public void A_message_quotes_80_characters(int length, bool isWhole)
    {
        string key = new('k', length), answer = new('7', length);
        RunQuestion[] questions = [new("b", "current", "?", RunAnswerKind.Current)];
        string ofKey = Assert.Throws<CompileException>(() => RunAnswers.Parse($"{key}: 7 pA\n", "answers.yaml", questions)).Diagnostic.Message;
        string ofAnswer = Assert.Throws<CompileException>(() => RunAnswers.Parse($"b/current: {answer}\n", "answers.yaml", questions)).Diagnostic.Message;
        Assert.Equal((isWhole, isWhole), (ofKey.Contains(key, StringComparison.Ordinal), ofAnswer.Contains(answer, StringComparison.Ordinal)));
    }

    private static string[] Start(string job, string machine, bool isNegative = false) =>
        Told(RunChecklist.Start(isNegative ? RunCase.Settings(job, machine, RunCase.Negative) : RunCase.Settings(job, machine)));

    private static string[] Told(IEnumerable<RunQuestion> questions) => [.. questions.Select(question => $"{question.Key}: {question.Text} ({question.Kind})")];
}
