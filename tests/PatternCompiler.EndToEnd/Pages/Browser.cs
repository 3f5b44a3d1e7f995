using System.Diagnostics;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace PatternCompiler.EndToEnd.Pages;

/// <summary>
/// A headless Chromium, driven by its debugging protocol. It looks at one page at a time, as wide as a telephone or a desk.
/// </summary>
public sealed class Browser : IDisposable
{
    private const string Announcement = "DevTools listening on ";
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(50);
    private readonly string profile = Directory.CreateTempSubdirectory("patternc-browser-").FullName;
    private readonly CancellationTokenSource timeout = new(TimeSpan.FromMinutes(4));
    private readonly List<JsonNode> events = [];
    private readonly byte[] buffer = new byte[1 << 16];
    private Process? process;
    private ClientWebSocket? socket;
    private string session = "";
    private string beforeScript = "";
    private int calls;

    /// <summary>Opens a page and looks at it.</summary>
    /// <param name="file">The page.</param>
    /// <param name="width">Width of the view in pixels.</param>
    /// <param name="isDark">The reader wants a dark page.</param>
    /// <param name="isCalm">The reader wants little motion.</param>
    /// <param name="isScripted">Scripts run; those of the tests run in any case.</param>
    /// <param name="slower">How many times slower the processor is made.</param>
    /// <param name="before">A script that runs before those of the page.</param>
    internal async Task<PageView> LookAt(string file, int width, bool isDark = false, bool isCalm = false, bool isScripted = true, int slower = 1, string before = "")
    {
        await Start();
        events.Clear();
        if (beforeScript.Length > 0)
        {
            await Call("Page.removeScriptToEvaluateOnNewDocument", new JsonObject { ["identifier"] = beforeScript });
            beforeScript = "";
        }

        if (before.Length > 0)
        {
            beforeScript = (await Call("Page.addScriptToEvaluateOnNewDocument", new JsonObject { ["source"] = before }))["identifier"]!.GetValue<string>();
        }

        await Call("Emulation.setCPUThrottlingRate", new JsonObject { ["rate"] = slower });
        await Call("Emulation.setScriptExecutionDisabled", new JsonObject { ["value"] = !isScripted });
        await Call("Emulation.setTouchEmulationEnabled", new JsonObject { ["enabled"] = width < 600, ["maxTouchPoints"] = width < 600 ? 5 : 1 });
        await Call("Emulation.setDeviceMetricsOverride", new JsonObject { ["width"] = width, ["height"] = 800, ["deviceScaleFactor"] = 1, ["mobile"] = width < 600 });
        await Call("Emulation.setEmulatedMedia", new JsonObject
        {
            ["features"] = new JsonArray(
                new JsonObject { ["name"] = "prefers-color-scheme", ["value"] = isDark ? "dark" : "light" },
                new JsonObject { ["name"] = "prefers-reduced-motion", ["value"] = isCalm ? "reduce" : "no-preference" }),
        });
        await Call("Page.navigate", new JsonObject { ["url"] = new Uri(file).AbsoluteUri });
        await WaitFor("Page.loadEventFired");
        JsonNode measured = await Call("Runtime.evaluate", new JsonObject
        {
            ["expression"] = """
                (async () => {
                  const images = [...document.images];
                  await Promise.all(images.map(image => image.decode()));
                  const style = getComputedStyle(document.body);
                  return JSON.stringify({
                    overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
                    cut: [...document.querySelectorAll('.scroll:not([tabindex])')].filter(part => part.scrollWidth > part.clientWidth).map(part => part.innerText.slice(0, 60)),
                    images: images.map(image => ({ width: image.naturalWidth, height: image.naturalHeight, shown: image.getBoundingClientRect().width, alt: image.alt })),
                    links: [...document.querySelectorAll('a')].map(link => link.getAttribute('href')),
                    broken: [...document.querySelectorAll('a[href^="#"]')].filter(link => !document.getElementById(link.getAttribute('href').slice(1))).map(link => link.outerHTML),
                    small: [...document.querySelectorAll('p, li, td, th, dd, dt, figcaption, summary')].filter(element => parseFloat(getComputedStyle(element).fontSize) < 12).length,
                    unhinted: [...document.querySelectorAll('.scroll')].filter(part => part.scrollWidth > part.clientWidth && !(part.previousElementSibling?.matches('.scroll-hint') && part.previousElementSibling.offsetHeight)).map(part => part.innerText.slice(0, 60)),
                    torn: (() => {
                      const torn = [], range = document.createRange(), walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
                      for (let node; (node = walker.nextNode());) {
                        if (!node.parentElement.offsetParent || node.parentElement.closest('code, script, style') || getComputedStyle(node.parentElement).clipPath !== 'none') continue;
                        for (const word of node.data.matchAll(/\p{L}{2,14}/gu)) {
                          range.setStart(node, word.index);
                          range.setEnd(node, word.index + word[0].length);
                          if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) torn.push(word[0] + ' in ' + node.parentElement.outerHTML.slice(0, 150));
                        }
                      }
                      return torn;
                    })(),
                    ink: style.color, paper: style.backgroundColor,
                    text: document.body.innerText,
                  });
                })()
                """,
            ["awaitPromise"] = true,
        });
        string result = measured["result"]?["value"]?.GetValue<string>() ?? throw new InvalidOperationException(measured.ToJsonString());
        return new PageView(JsonNode.Parse(result)!, [.. Complaints()], [.. Fetched(new Uri(file).AbsoluteUri)]);
    }

    /// <summary>The value of an expression in the page that is looked at, as text; of a promise what it becomes.</summary>
    internal async Task<string> Evaluate(string expression)
    {
        JsonNode answer = await Call("Runtime.evaluate", new JsonObject { ["expression"] = expression, ["awaitPromise"] = true, ["returnByValue"] = true });
        return answer["exceptionDetails"] is { } fault ? throw new InvalidOperationException(fault.ToJsonString()) : answer["result"]?["value"]?.ToString() ?? "";
    }

    /// <summary>Presses a key where the focus is.</summary>
    internal async Task Press(string key)
    {
        string text = key switch { "Enter" => "\r", "Space" => " ", { Length: 1 } => key, _ => "" };
        int code = key switch { "Enter" => 13, "Space" => 32, "Tab" => 9, _ => text.Length == 1 ? char.ToUpperInvariant(text[0]) : 0 };
        foreach (string type in (string[])["keyDown", "keyUp"])
        {
            var press = new JsonObject { ["type"] = type, ["key"] = key == "Space" ? " " : key, ["code"] = key, ["windowsVirtualKeyCode"] = code };
            if (type == "keyDown" && text.Length > 0)
            {
                press["text"] = text;
            }

            await Call("Input.dispatchKeyEvent", press);
        }
    }

    /// <summary>Fingers touch an element, move in steps, and are lifted.</summary>
    /// <param name="selector">The element.</param>
    /// <param name="fingers">Of each finger where it begins and ends, in pixels from the middle of the element.</param>
    internal async Task Touch(string selector, params (double FromX, double FromY, double ToX, double ToY)[] fingers)
    {
        const int Steps = 8;
        (double x, double y) = await MiddleOf(selector);
        for (int step = 0; step <= Steps; step++)
        {
            double part = (double)step / Steps;
            await Call("Input.dispatchTouchEvent", new JsonObject
            {
                ["type"] = step == 0 ? "touchStart" : "touchMove",
                ["touchPoints"] = new JsonArray([
                    .. fingers.Select((finger, id) => (JsonNode)new JsonObject
                    {
                        ["id"] = id,
                        ["x"] = x + finger.FromX + part * (finger.ToX - finger.FromX),
                        ["y"] = y + finger.FromY + part * (finger.ToY - finger.FromY),
                    }),
                ]),
            });
        }

        await Call("Input.dispatchTouchEvent", new JsonObject { ["type"] = "touchEnd", ["touchPoints"] = new JsonArray() });
    }

    private async Task<(double X, double Y)> MiddleOf(string selector)
    {
        string[] place = (await Evaluate($"(() => {{ const part = document.querySelector({JsonValue.Create(selector).ToJsonString()}); part.scrollIntoView({{ block: 'center', inline: 'center' }}); const box = part.getBoundingClientRect(); return `${{box.x + box.width / 2}} ${{box.y + box.height / 2}}`; }})()")).Split(' ');
        return (double.Parse(place[0], System.Globalization.CultureInfo.InvariantCulture), double.Parse(place[1], System.Globalization.CultureInfo.InvariantCulture));
    }

    /// <summary>Clicks on an element with the mouse.</summary>
    /// <param name="selector">The element.</param>
    /// <param name="right">How far to the right of its middle.</param>
    /// <param name="down">How far below it.</param>
    internal async Task Click(string selector, double right = 0, double down = 0)
    {
        (double x, double y) = await MiddleOf(selector);
        foreach (string type in (string[])["mousePressed", "mouseReleased"])
        {
            await Call("Input.dispatchMouseEvent", new JsonObject
            {
                ["type"] = type,
                ["x"] = x + right,
                ["y"] = y + down,
                ["button"] = "left",
                ["clickCount"] = 1,
            });
        }
    }

    /// <summary>
    /// What the npm package axe-core has to say about the page as it is now: rules of accessibility after WCAG 2.2 (W3C Recommendation, 2024), contrast of
    /// all texts among them. Empty for a page without fault.
    /// </summary>
    /// <param name="accessibilityScript">The package as one script.</param>
    internal async Task<string> Accessibility(string accessibilityScript)
    {
        await Evaluate(await File.ReadAllTextAsync(accessibilityScript) + "; ''");
        return await Evaluate("axe.run(document).then(result => result.violations.map(rule => rule.id + ': ' + rule.nodes.map(node => node.html.slice(0, 150)).join(' | ')).join('\\n'))");
    }

    public void Dispose()
    {
        if (process is not null)
        {
            process.Kill(entireProcessTree: true);
            process.WaitForExit();
            process.Dispose();
        }

        socket?.Dispose();
        timeout.Dispose();
        for (int attempt = 0; attempt < 20 && Directory.Exists(profile); attempt++)
        {
            try
            {
                Directory.Delete(profile, recursive: true);
            }
            catch (IOException)
            {
                // Its child processes are still ending.
                Thread.Sleep(100);
            }
        }
    }

    private IEnumerable<string> Complaints()
    {
        foreach (JsonNode item in events)
        {
            switch (item["method"]?.GetValue<string>())
            {
                case "Runtime.consoleAPICalled" or "Runtime.exceptionThrown" or "Log.entryAdded":
                    yield return item.ToJsonString();
                    break;
                default:
                    break;
            }
        }
    }

    /// <summary>Everything that the page asked for besides itself and what it brings along.</summary>
    private IEnumerable<string> Fetched(string page) => events
        .Where(item => item["method"]?.GetValue<string>() == "Network.requestWillBeSent")
        .Select(item => item["params"]!["request"]!["url"]!.GetValue<string>())
        .Where(url => url != page && !url.StartsWith("data:", StringComparison.Ordinal));

    private async Task Start()
    {
        if (process is not null)
        {
            return;
        }

        var start = new ProcessStartInfo("chromium", [
            "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-extensions", "--disable-component-update", "--disable-background-networking", "--disable-sync",
            "--remote-debugging-port=0", "--remote-allow-origins=*", $"--user-data-dir={profile}", "about:blank"])
        {
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        };
        process = Process.Start(start)!;
        string address = await ReadAddress(process);

        // What it says besides is of no interest, but it must not wait for a reader.
        _ = process.StandardError.ReadToEndAsync();
        _ = process.StandardOutput.ReadToEndAsync();
        socket = new ClientWebSocket();
        await socket.ConnectAsync(new Uri(address), timeout.Token);
        JsonNode target = await Call("Target.createTarget", new JsonObject { ["url"] = "about:blank" });
        JsonNode attached = await Call("Target.attachToTarget", new JsonObject { ["targetId"] = target["targetId"]!.GetValue<string>(), ["flatten"] = true });
        session = attached["sessionId"]!.GetValue<string>();
        foreach (string domain in (string[])["Page", "Runtime", "Log", "Network"])
        {
            await Call(domain + ".enable", []);
        }
    }

    private static async Task<string> ReadAddress(Process browser)
    {
        using var patience = new CancellationTokenSource(Patience);
        while (await browser.StandardError.ReadLineAsync(patience.Token) is { } line)
        {
            if (line.StartsWith(Announcement, StringComparison.Ordinal))
            {
                return line[Announcement.Length..].Trim();
            }
        }

        throw new InvalidOperationException("Chromium did not start.");
    }

    private async Task<JsonNode> Call(string method, JsonObject parameters)
    {
        int id = ++calls;
        var message = new JsonObject { ["id"] = id, ["method"] = method, ["params"] = parameters };
        if (session.Length > 0)
        {
            message["sessionId"] = session;
        }

        await socket!.SendAsync(Encoding.UTF8.GetBytes(message.ToJsonString()), WebSocketMessageType.Text, endOfMessage: true, timeout.Token);
        while (true)
        {
            JsonNode answer = await Receive();
            if (answer["id"]?.GetValue<int>() == id)
            {
                return answer["result"] ?? throw new InvalidOperationException($"{method}: {answer.ToJsonString()}");
            }

            events.Add(answer);
        }
    }

    private async Task WaitFor(string method)
    {
        while (!events.Any(item => item["method"]?.GetValue<string>() == method))
        {
            events.Add(await Receive());
        }
    }

    private async Task<JsonNode> Receive()
    {
        using var message = new MemoryStream();
        ValueWebSocketReceiveResult part;
        do
        {
            part = await socket!.ReceiveAsync(buffer.AsMemory(), timeout.Token);
            message.Write(buffer, 0, part.Count);
        }
        while (!part.EndOfMessage);
        return JsonNode.Parse(message.ToArray())!;
    }
}
