using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;

namespace AgeWatch.Server.Tests.Sheets;

/// <summary>Sends sheets and reads what came of them.</summary>
internal static class SheetPost
{
    public static Task<HttpResponseMessage> SendSheetAsync(
        this TestApp app, string sheet, string query = "", string? encoding = null)
    {
        ByteArrayContent body = new(Encoding.UTF8.GetBytes(sheet));
        body.Headers.ContentType = new MediaTypeHeaderValue("text/csv");
        if (encoding is not null)
        {
            body.Headers.ContentEncoding.Add(encoding);
        }

        return app.Officer.PostAsync($"/v1/imports{query}", body, TestContext.Current.CancellationToken);
    }

    /// <summary>What would happen; nothing is stored.</summary>
    public static async Task<JsonElement> TrySheetAsync(this TestApp app, string sheet, string query = "")
    {
        var response = await app.SendSheetAsync(sheet, $"?dryRun=true{query}");
        Assert.Equal(200, (int)response.StatusCode);
        return await response.Json();
    }

    public static async Task<JsonElement> TakeSheetAsync(this TestApp app, string sheet, string query = "")
    {
        var response = await app.SendSheetAsync(sheet, query);
        Assert.True(response.IsSuccessStatusCode, await response.Content.ReadAsStringAsync());
        return await response.Json();
    }

    /// <param name="member">"errors" or "warnings".</param>
    /// <returns>"line column code" of each, in the order of lines.</returns>
    public static string[] Cells(this JsonElement report, string member) =>
    [
        .. from row in report.GetProperty("rows").EnumerateArray()
           where row.TryGetProperty(member, out _)
           from cell in row.GetProperty(member).EnumerateArray()
           select $"{row.GetProperty("line")} {cell.GetProperty("column")} {cell.GetProperty("code")}",
    ];

    public static string[] Suggestions(this JsonElement report) =>
    [
        .. report.GetProperty("suggestions").EnumerateArray()
            .Select(s => $"{s.GetProperty("parameter")}={s.GetProperty("value")}"),
    ];

    public static async Task<JsonElement> OnlyAsync(this TestApp app, string path) =>
        Assert.Single((await (await app.Officer.GetAsync(path, TestContext.Current.CancellationToken)).Json())
            .GetProperty("items").EnumerateArray());
}
