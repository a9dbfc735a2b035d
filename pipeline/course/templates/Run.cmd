@echo off
rem A double click runs this folder and opens the pages.
cd /d "%~dp0"
rem The program, or else the Python that made this folder.
set "python=@PYTHON@"
where /q lostroot
if not errorlevel 1 (
  lostroot run .
) else if exist "%python%" (
  "%python%" -P -m pipeline.cli run .
) else (
  echo lostroot was not found. Install it, or write its place into this file.
  cmd /c exit 2
)
set "status=%errorlevel%"
if %status% leq 1 if exist "reports\own\index.html" start "" "reports\own\index.html"
pause
exit /b %status%
