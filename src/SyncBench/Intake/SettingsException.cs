namespace SyncBench.Intake;

/// <summary>Settings that cannot be used. The message names the file, what is wrong and what to do.</summary>
public sealed class SettingsException(string message) : Exception(message);
