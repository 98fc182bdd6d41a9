using SyncBench.Worker.Commands;

return await CommandLine.RunAsync(args);
