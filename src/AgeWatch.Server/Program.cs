var app = WebApplication.Create(args);
app.MapGet("/health/live", () => "ok");
app.Run();
